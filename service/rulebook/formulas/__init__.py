"""From the text of a formula to vetted, compiled code in the order it runs."""
