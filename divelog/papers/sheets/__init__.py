"""Papers that go out to the water and come back: parameters in, one page of text or HTML out. Nothing here reads or writes."""
