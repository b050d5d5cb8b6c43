// Package serve shows an archive to people in a browser: plain pages over HTTPS,
// made on the server, without scripts and without anything from elsewhere. Who
// may do what follows from the list of people of the archive and their roles;
// every reading of a report is written down before anything of it is sent.
//
// Start with New; Server.Handler answers requests, Server.Run listens until it
// is told to stop. routes.go lists every page with the role that it needs, and
// the tests hold each route to it. Nothing that a browser sends becomes a path.
package serve
