"""Rules on times: windows, waits and hands."""
