"""What the web app keeps: inquiries with all their revisions, work under way, studies and who did what."""
