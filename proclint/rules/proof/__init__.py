"""What is known to work when a job ends, and how the vehicle is left."""
