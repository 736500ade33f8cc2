"""What can hurt, and whether who does it was warned in time."""
