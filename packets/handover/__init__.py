"""What one station hands the next: the small translations between their records."""
