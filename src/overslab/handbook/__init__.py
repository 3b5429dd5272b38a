"""Published formulas and limits, one plain function each; imports the ground only."""
