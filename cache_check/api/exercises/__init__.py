"""What exercises are drawn from, and their kinds."""
