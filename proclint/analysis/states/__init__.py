"""The vehicle in the loop: a procedure run on all its ways over what can be known of vehicle, keys and job."""
