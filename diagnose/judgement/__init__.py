"""One judgement: facts in, causes, tests, fixes and cautions out, with the whole trace."""
