//go:build !linux && !darwin

package main

// lockFolder has no means here that would end with the process; two runs into one folder are then not kept apart.
func lockFolder(string) (release func() error, err error) { return func() error { return nil }, nil }

// writable leaves it to the first file that is written.
func writable(string) error { return nil }

// claimsTell: they do not, so that what a run leaves when it is ended cannot be told from what another one fills.
const claimsTell = false

// claim has nothing to do here.
func claim(string) (free func() error, err error) { return func() error { return nil }, nil }

// ownedByUser is not asked, since claims do not tell.
func ownedByUser(string) bool { return false }
