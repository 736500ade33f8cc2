"""Rules about the words that people read: unclear ones, and those that differ from what is done."""
