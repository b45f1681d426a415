"""What each resource has to do at least for one part set."""
