"""One file for each kind of rule file: from text to the records of the rulebook."""
