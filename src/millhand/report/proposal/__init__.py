"""The proposal that leaves the house: sections made from a study, told in a language, typeset as one PDF."""
