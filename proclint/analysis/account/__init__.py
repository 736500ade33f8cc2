"""What a person who decides on a procedure has to see of it: endings, slots, hazards, the course, neighbours. Knows no results."""
