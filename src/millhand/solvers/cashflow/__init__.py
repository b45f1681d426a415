"""Very many draws of a business case at once: the measures of formulas/cashflow.py, compiled."""
