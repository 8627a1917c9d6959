//go:build !unix

package points

import "time"

func processor() time.Duration { return 0 }
