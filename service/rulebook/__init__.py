"""From strict YAML to vetted, unit-checked, compiled and ordered formulas."""
