"""Tours of visits, their event graphs, and the simple ones."""
