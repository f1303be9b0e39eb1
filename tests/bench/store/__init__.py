"""The store beside SQLite: durable writes, opening, memory."""
