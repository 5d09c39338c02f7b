"""Other offline recognisers that come with an English model, behind one interface, for `bench_peers`."""
