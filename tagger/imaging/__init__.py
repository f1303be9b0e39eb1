"""What is read and measured on pixels."""

import warnings

# Decoders warn of odd files on stderr, which is the screen; what matters of it is said in the
# card's frame.
warnings.filterwarnings("ignore", module=r"PIL(\.|$)")
