"""Where a part may be put down wrong: the chain of errors against what catches it."""
