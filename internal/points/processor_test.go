//go:build unix

package points

import (
	"syscall"
	"time"
)

// processor is the time that this process has had a processor, which other work
// on the machine does not stretch.
func processor() time.Duration {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		return 0
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}
