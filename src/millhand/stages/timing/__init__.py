"""How long one load takes attendant and machine, by hand or by an arm."""
