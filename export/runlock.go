//go:build linux || darwin || freebsd || netbsd || openbsd || dragonfly

package export

import (
	"errors"
	"os"
	"syscall"
)

// flock holds an open folder, alone or together with others that hold it so, until it is closed or the program ends. A
// file system that knows no such holds lets everyone in.
func flock(f *os.File, alone bool) error {
	how := syscall.LOCK_SH
	if alone {
		how = syscall.LOCK_EX
	}
	err := syscall.Flock(int(f.Fd()), how|syscall.LOCK_NB)
	if errors.Is(err, syscall.ENOTSUP) || errors.Is(err, syscall.ENOLCK) || errors.Is(err, syscall.ENOSYS) {
		return nil
	}
	return err
}
