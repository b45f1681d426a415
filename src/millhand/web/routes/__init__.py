"""One file a subject; each has its ROUTES."""
