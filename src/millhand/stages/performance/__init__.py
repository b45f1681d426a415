"""From a simulated cell to parts a shift, alone and a year, and the hours that people still work."""
