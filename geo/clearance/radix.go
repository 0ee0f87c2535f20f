package clearance

// digitBits is how many bits of the key one pass of the sort takes: its counters fit the fastest cache.
const digitBits = 11

// radixSort sorts keys of so many bits and what belongs to them, least digit first, each pass shared by the cores. Keys that are equal keep
// their order. The slices that come back may be the scratch that it needed.
func radixSort(keys []uint64, values []int32, bits int) ([]uint64, []int32) {
	toKeys, toValues := make([]uint64, len(keys)), make([]int32, len(values))
	parts := workers()
	counts := make([][1 << digitBits]int32, parts)
	for shift := 0; shift < bits; shift += digitBits {
		clear(counts)
		split(len(keys), func(part, from, to int) {
			count := &counts[part]
			for _, key := range keys[from:to] {
				count[key>>shift&(1<<digitBits-1)]++
			}
		})
		makeOffsets(counts)
		split(len(keys), func(part, from, to int) {
			next := &counts[part]
			for i := from; i < to; i++ {
				digit := keys[i] >> shift & (1<<digitBits - 1)
				at := next[digit]
				next[digit]++
				toKeys[at], toValues[at] = keys[i], values[i]
			}
		})
		keys, toKeys = toKeys, keys
		values, toValues = toValues, values
	}
	return keys, values
}

// makeOffsets turns counts of digits by part into where each part's share of each digit begins.
func makeOffsets(counts [][1 << digitBits]int32) {
	var sum int32
	for digit := range counts[0] {
		for part := range counts {
			counts[part][digit], sum = sum, sum+counts[part][digit]
		}
	}
}
