package archive

import (
	"fmt"
	"net/url"
	"os"
	"regexp"
	"strings"
)

// S3Place names a place in an S3-compatible object store. It holds no key.
type S3Place struct {
	Endpoint string // URL of the service, without a path
	Region   string // as the service calls it
	Bucket   string
	Prefix   string // of all keys, "" or ending with "/"
}

// Where the address of the service does not say otherwise.
const (
	s3Region   = "us-east-1"
	s3Endpoint = "https://s3.amazonaws.com"
)

var bucketName = regexp.MustCompile(`^[a-z0-9][a-z0-9.-]{1,61}[a-z0-9]$`)

// IsS3 tells whether an address is one that ParseS3Place reads.
func IsS3(address string) bool { return strings.HasPrefix(address, "s3://") }

// ParseS3Place reads s3://BUCKET/PREFIX?endpoint=URL&region=NAME. Endpoint and
// region may be left out; they come from AWS_ENDPOINT_URL and AWS_REGION then.
func ParseS3Place(address string) (S3Place, error) {
	bad := func(why string) (S3Place, error) {
		// The address is not told: somebody may have put a key into it.
		return S3Place{}, fmt.Errorf("the address of the object store cannot be used: %s; it reads s3://BUCKET/PREFIX?endpoint=https://HOST&region=NAME", why)
	}
	u, err := url.Parse(address)
	if err != nil || u.Scheme != "s3" || u.Fragment != "" {
		return bad("it cannot be read")
	}
	if u.User != nil {
		return bad("keys do not belong into it; set AWS_ACCESS_KEY_ID and AWS_SECRET_ACCESS_KEY")
	}
	if !bucketName.MatchString(u.Host) {
		return bad("the bucket's name is missing or not one of a bucket")
	}
	at := S3Place{Endpoint: os.Getenv("AWS_ENDPOINT_URL"), Region: os.Getenv("AWS_REGION"), Bucket: u.Host}
	for name, v := range u.Query() {
		switch name {
		case "endpoint":
			at.Endpoint = v[0]
		case "region":
			at.Region = v[0]
		default:
			return bad(fmt.Sprintf("there is no %.40q", name))
		}
	}
	if at.Region == "" {
		at.Region = s3Region
	}
	if at.Endpoint == "" {
		at.Endpoint = s3Endpoint
	}
	e, err := url.Parse(at.Endpoint)
	if err != nil || (e.Scheme != "https" && e.Scheme != "http") || e.Host == "" || strings.Trim(e.Path, "/") != "" || e.User != nil || e.RawQuery != "" {
		return bad("the endpoint is not the address of a server, such as https://store.example.org")
	}
	at.Endpoint = e.Scheme + "://" + e.Host
	if at.Prefix = strings.Trim(u.Path, "/"); at.Prefix != "" {
		at.Prefix += "/"
	}
	if strings.Contains(at.Prefix, "//") || strings.Contains("/"+at.Prefix, "/../") || strings.Contains("/"+at.Prefix, "/./") || strings.ContainsFunc(at.Prefix, func(r rune) bool { return r < ' ' || r == 0x7f }) || len(at.Prefix) > 500 {
		return bad("the prefix has an empty part, a part of dots or control characters, or is too long")
	}
	return at, nil
}

// String is the whole address, as ParseS3Place reads it.
func (p S3Place) String() string {
	u := url.URL{Scheme: "s3", Host: p.Bucket, Path: "/" + strings.TrimSuffix(p.Prefix, "/"),
		RawQuery: url.Values{"endpoint": {p.Endpoint}, "region": {p.Region}}.Encode()}
	return u.String()
}

// name is what messages call the place.
func (p S3Place) name() string { return "s3://" + p.Bucket + "/" + strings.TrimSuffix(p.Prefix, "/") }
