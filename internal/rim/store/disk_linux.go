package store

import (
	"fmt"
	"syscall"
)

// shares are the kinds of file system that other machines write to at the same time; the journal beside the file is not safe
// there. Numbers of statfs(2).
var shares = map[int64]string{0x6969: "NFS", 0x517b: "SMB", 0xff534d42: "CIFS", 0xfe534d42: "SMB2"}

// onOwnDisk refuses a folder that is a network share.
func onOwnDisk(dir string) error {
	var info syscall.Statfs_t
	if err := syscall.Statfs(dir, &info); err != nil {
		return fmt.Errorf("there is no folder %s for the file", dir)
	}
	if kind := shares[int64(uint32(info.Type))]; kind != "" {
		return fmt.Errorf("%s is on a network share (%s), where two machines can spoil the file; keep it on this machine's own disk", dir, kind)
	}
	return nil
}
