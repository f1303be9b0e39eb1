"""What leaves the tool."""
