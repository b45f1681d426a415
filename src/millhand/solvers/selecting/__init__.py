"""Which of several jobs to do first, within one budget and one person's time."""
