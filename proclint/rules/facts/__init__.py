"""Sources, tables and procedures held against one another."""
