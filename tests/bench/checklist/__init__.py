"""A hundred lists of seven languages and of many makings: right, told, wrong in silence."""
