"""What it is worth to know something before choosing, and how much of a spread comes from what: from draws alone."""
