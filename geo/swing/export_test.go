package swing

// Full works out all places, for the benchmark.
func (p *Poses) Full() ([]pose, error) { return p.full() }
