"""What a person who decides on a procedure has to see of it: its endings, slots, hazards, course and neighbours."""
