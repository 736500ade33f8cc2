"""What sources say of vehicles: boxes, claims, conflicts between them, and what they are worth together."""
