"""What is measured on pixels, against known truth, on held-out scans."""
