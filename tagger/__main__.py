"""`python -m tagger`."""

import sys

from tagger.cli import main

sys.exit(main())
