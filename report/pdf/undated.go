package pdf

import "regexp"

// inventedDate is an entry with the beginning of Unix time, which stands for a day of issue that the job does not state.
var inventedDate = regexp.MustCompile(`/(?:CreationDate|ModDate) \(D:19700101000000\)\n?`)

// undated is a dictionary without invented dates: both entries are optional (ISO 32000-1:2008, table 317).
func undated(dictionary []byte) []byte { return inventedDate.ReplaceAll(dictionary, nil) }
