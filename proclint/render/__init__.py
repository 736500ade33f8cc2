"""A report or a rule's page as text; pure."""
