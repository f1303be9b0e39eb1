"""What web pages have around and within their tables and lists."""
