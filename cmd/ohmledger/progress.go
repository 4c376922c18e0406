package main

import (
	"fmt"
	"io"
	"strings"
	"sync"
	"time"
)

// redraw is how often a line of progress may change: often enough to look alive, seldom enough to cost nothing.
const redraw = 100 * time.Millisecond

// meter is a line on a terminal that says how far the work is. Without a terminal it says nothing but its notes.
type meter struct {
	lock   sync.Mutex
	w      io.Writer // nil: silent
	notes  io.Writer // nil: silent too
	length int       // of what stands on the line
	drawn  time.Time
}

func (c *console) meter() *meter {
	if !c.terminal {
		return &meter{notes: c.err}
	}
	return &meter{w: c.err, notes: c.err}
}

// tell shows a stage of the work with its count.
func (m *meter) tell(stage string, done, total int) {
	m.lock.Lock()
	defer m.lock.Unlock()
	if m.w == nil || done < total && time.Since(m.drawn) < redraw {
		return
	}
	m.drawn = time.Now()
	m.write(fmt.Sprintf("%s %d of %d", stage, done, total))
}

// note says what happened besides, on a line that stays.
func (m *meter) note(format string, arguments ...any) {
	m.clear()
	m.lock.Lock()
	defer m.lock.Unlock()
	if m.notes != nil {
		fmt.Fprintf(m.notes, "ohmledger: %s\n", legible(fmt.Sprintf(format, arguments...)))
	}
}

// clear leaves an empty line.
func (m *meter) clear() {
	m.lock.Lock()
	defer m.lock.Unlock()
	if m.w != nil && m.length > 0 {
		m.write("")
		fmt.Fprint(m.w, "\r")
	}
}

func (m *meter) write(text string) {
	fmt.Fprintf(m.w, "\r%s%s", text, strings.Repeat(" ", max(0, m.length-len(text))))
	m.length = len(text)
}
