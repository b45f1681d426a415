"""Parts that go together: bands of one measure, and which means cover the most."""
