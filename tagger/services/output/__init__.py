"""What is written of a lot for others: tables, pictures, pages."""
