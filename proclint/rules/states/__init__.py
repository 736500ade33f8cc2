"""What cannot be done, or must not be, as vehicle, keys and job are on some way."""
