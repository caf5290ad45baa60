package serve

import (
	"crypto/tls"
	"errors"
	"fmt"
	"net"
	"net/netip"
	"net/url"
	"strings"
)

// Shared says how the people of a shop reach a server they share. With Public people sign in.
type Shared struct {
	Public      string   // as their browsers name it: https://slabs.example
	Behind      []string // proxies in front of it, whose word on the caller's address is taken: 10.0.0.5, or 10.0.0.0/24
	Certificate string   // file, where no proxy in front speaks https for it
	Key         string   // file, of the certificate
}

// reached is Shared as read.
type reached struct {
	public *url.URL
	behind []netip.Prefix
	tls    *tls.Config
}

func (s Shared) read() (reached, error) {
	var out reached
	if s.Public == "" {
		if len(s.Behind) > 0 || s.Certificate != "" || s.Key != "" {
			return out, errors.New("a proxy or a certificate goes with a shared server. Say how people reach it: --public https://slabs.example")
		}
		return out, nil
	}
	public, err := url.Parse(strings.TrimSuffix(s.Public, "/"))
	if err != nil || public.Host == "" || public.Path != "" || public.RawQuery != "" || public.Fragment != "" || public.User != nil || public.Scheme != "https" && public.Scheme != "http" {
		return out, fmt.Errorf("`%s` is no address people reach a server by. Type it like https://slabs.example", s.Public)
	}
	if ip := net.ParseIP(public.Hostname()); public.Scheme == "http" && public.Hostname() != "localhost" && (ip == nil || !ip.IsLoopback()) {
		return out, fmt.Errorf("`%s`: over http passwords could be read on the way. Type https://%s, and give --certificate and --key, or a proxy in front that has them", s.Public, public.Host)
	}
	out.public = public
	for _, text := range s.Behind {
		prefix, err := netip.ParsePrefix(text)
		if err != nil {
			address, bad := netip.ParseAddr(text)
			if bad != nil {
				return out, fmt.Errorf("`%s` is no address of a proxy. Type it like 10.0.0.5 or 10.0.0.0/24", text)
			}
			prefix = netip.PrefixFrom(address, address.BitLen())
		}
		out.behind = append(out.behind, prefix.Masked())
	}
	if (s.Certificate == "") != (s.Key == "") {
		return out, errors.New("a certificate goes with its key: give --certificate and --key, or neither behind a proxy that speaks https")
	}
	if s.Certificate != "" {
		pair, err := tls.LoadX509KeyPair(s.Certificate, s.Key)
		if err != nil {
			return out, fmt.Errorf("the certificate %s with the key %s cannot be used: %w", s.Certificate, s.Key, err)
		}
		out.tls = &tls.Config{Certificates: []tls.Certificate{pair}, MinVersion: tls.VersionTLS12}
	}
	return out, nil
}
