"""Tables, pictures and pages out of the tool, and tables in again."""
