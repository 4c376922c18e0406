package report

import "ohmledger/health/job"

// blank lists the keys of job.yaml that a report needs by ISO/IEC 17025:2017, 7.8.2.1 and 7.8.3.1, and
// that the job leaves blank: letters are those of 7.8.2.1.
func blank(j *job.Job) []string {
	needed := []struct {
		key   string
		given bool
	}{
		{"report.number", j.Report.Number != ""},                            // d)
		{"report.title", j.Report.Title != ""},                              // a)
		{"report.issued", !j.Report.Issued.IsZero()},                        // j)
		{"report.customer.name", j.Report.Customer.Name != ""},              // e)
		{"report.customer.address", j.Report.Customer.Address != ""},        // e)
		{"report.item", j.Report.Item != ""},                                // g)
		{"report.received", !j.Report.Received.IsZero()},                    // h)
		{"report.tested", j.Report.Tested != ""},                            // i)
		{"report.authorised_by", j.Report.AuthorisedBy != ""},               // o)
		{"report.remarks", j.Report.Amends == "" || j.Report.Remarks != ""}, // 7.8.8: what changed
		{"laboratory.name", j.Laboratory.Name != ""},                        // b)
		{"laboratory.address", j.Laboratory.Address != ""},                  // b), c)
		{"cell.model", j.Cell.Model != ""},                                  // g)
		{"instrument.name", j.Instrument.Name != ""},                        // 6.5, traceability of what was measured with
	}
	var keys []string
	for _, n := range needed {
		if !n.given {
			keys = append(keys, n.key)
		}
	}
	return keys
}
