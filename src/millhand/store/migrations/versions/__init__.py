"""One file a step, each behind the one before."""
