"""The work behind the desk, in threads and processes of its own."""
