"""Attendants that share a track."""
