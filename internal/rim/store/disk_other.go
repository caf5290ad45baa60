//go:build !linux

package store

import (
	"fmt"
	"os"
)

// onOwnDisk wants the folder to be there; network shares are known on Linux only.
func onOwnDisk(dir string) error {
	if _, err := os.Stat(dir); err != nil {
		return fmt.Errorf("there is no folder %s for the file", dir)
	}
	return nil
}
