"""The independent validator of schedules."""
