def spoilt_sets(tally, found):
    pass
