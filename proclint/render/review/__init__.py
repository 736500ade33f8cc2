"""A review as text, as Markdown and as one HTML page: laid out once as leaves of parts, then written in each form. Pure."""
