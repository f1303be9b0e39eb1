"""What is read and measured on pixels."""
