"""What the desk is built of. Data goes down into a widget; nothing here changes a lot."""
