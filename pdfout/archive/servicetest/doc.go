// Package servicetest gives tests and measurements the real outside services
// that the archive is meant to stand on: a PostgreSQL server, an object store
// that speaks S3, a browser and a reader of Parquet files that is not ours. It
// is for tests and measurements only; the program never imports it, which
// TestProgramDoesNotImport holds.
//
// Everything is private to one test process: servers listen on the loopback
// address with passwords of their own, keep their data in temporary folders and
// are stopped, and the folders removed, when the process ends, even when it is
// killed. A cluster that Debian's packages started by themselves is never
// touched. What is missing fails the test with the name of the Debian package;
// nothing is skipped. Linux only.
package servicetest
