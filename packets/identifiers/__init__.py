"""What a taxpayer number looks like, and what it may look like masked."""
