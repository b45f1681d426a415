"""The steps that bring an older database to the tables of today."""
