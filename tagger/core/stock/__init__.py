"""Tagged cards in the trade: orders, pick lists, stock-taking, boxes, income."""
