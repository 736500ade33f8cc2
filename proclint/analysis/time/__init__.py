"""Whether a person can keep the times of a procedure, and how long a job takes."""
