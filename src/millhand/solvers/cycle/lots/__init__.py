"""The shortest makespan of lots."""
