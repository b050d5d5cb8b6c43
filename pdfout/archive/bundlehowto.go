package archive

import (
	"fmt"
	"strings"

	"wornwood/pdfout/sign"
)

// howTo is HOW-TO-CHECK.txt: its commands stand four blanks in, and a test runs
// just these.
func (b *bundling) howTo() string {
	var s strings.Builder
	say := func(format string, args ...any) { fmt.Fprintf(&s, format, args...) }
	say("How to check this bundle without the program that made it\n\n")
	say("Unpack the zip, open a terminal in the folder, and enter the indented lines. They are for a\nPOSIX shell with GNU coreutils (sha256sum, basenc), OpenSSL and poppler's pdfsig, as any Linux\nhas or installs. Each part prints what it says here; where a line is missing, or another one\ncomes, something is not as it was.\n")
	say("\n1. The files are those that were packed. Prints nothing but the last words.\n\n")
	say("    sha256sum --check --quiet SHA256SUMS && echo 'The files are those that were packed.'\n")
	if b.opt.Signer != nil {
		say("\n   The list of sums is signed. The command ends with \"successful\"; the last line is the\n   fingerprint of the key. Compare it with one that you have from elsewhere:\n   a signature shows only that whoever holds that key packed this.\n   %s\n\n", b.opt.Signer.Fingerprint().Long())
		signatureCommands(say, "SHA256SUMS.p7s", "SHA256SUMS")
	}
	say("\n2. The reports are signed, and unaltered since. For each signature pdfsig says \"Signature is\n   Valid.\" A certificate that its holder made is not known to it; compare the fingerprint that\n   page 1 of the report names with whoever examined the instrument. A countersigned report has\n   two signatures, of which only the last is over the whole file.\n\n")
	say("    for f in reports/*.pdf; do echo \"$f\"; pdfsig -nocert \"$f\"; done\n")
	say("\n3. Each report, and what was found when it was filed, are those that the archive's log names.\n   A line that says so for each; one is missing where it is not so.\n\n")
	for _, r := range b.rows {
		for _, f := range []string{b.reportFile(r), b.verdictFile(r)} {
			say("    grep -q \"$(sha256sum < %s | cut -c1-64)\" %s && echo '%s is as the log names it.'\n", f, lineFile(r.Seq), f)
		}
	}
	b.howToLog(say)
	b.howToStamp(say)
	say("\n6. The log itself: ask the archive for a later head ('wornwood archive log DIR --head', and\n   'wornwood archive prove DIR --since proof/proof.json --out later.json'), or compare the one in\n   proof/head.json with one that was noted or published elsewhere. An archive that shows you\n   another history than somebody else cannot make both heads agree. With the program:\n\n   wornwood archive verify-proof proof/proof.json --head NUMBER:HASH\n   wornwood verify reports/NAME.pdf\n")
	return s.String()
}

func signatureCommands(say func(string, ...any), signature, content string) {
	say("    openssl cms -verify -binary -noverify -inform DER -in %s -content %s -out /dev/null\n", signature, content)
	say("    openssl pkcs7 -inform DER -in %s -print_certs | openssl x509 -noout -pubkey | openssl pkey -pubin -outform DER | sha256sum\n", signature)
}

// howToLog explains the way from a line to the root.
func (b *bundling) howToLog(say func(string, ...any)) {
	say("\n4. Each of these lines stands in the log with the head in proof/head.json: a hash tree after\n   RFC 9162, section 2.1. A leaf is the SHA-256 of a zero byte and the line, a node that of a one\n   byte and the two nodes below it; each .path has the nodes beside the way up to the root.\n\n")
	say("    bytes() { printf %%s \"$1\" | tr a-f A-F | basenc --base16 -d; }\n")
	say("    climb() {\n")
	say("      h=$( { printf '\\000'; cat \"$1\"; } | sha256sum | cut -c1-64)\n")
	say("      while read -r side other; do\n")
	say("        if [ \"$side\" = left ]; then set -- \"$1\" \"$2\" \"$other\" \"$h\"; else set -- \"$1\" \"$2\" \"$h\" \"$other\"; fi\n")
	say("        h=$( { printf '\\001'; bytes \"$3\"; bytes \"$4\"; } | sha256sum | cut -c1-64)\n")
	say("      done < \"$2\"\n")
	say("      echo \"$h\"\n")
	say("    }\n")
	say("    root() { grep -o '\"root\":\"[0-9a-f]*\"' \"$1\" | cut -d'\"' -f4; }\n")
	for _, r := range b.rows {
		say("    test \"$(climb %s %s)\" = \"$(root proof/head.json)\" && echo 'Line %d stands in the log.'\n", lineFile(r.Seq), pathFile(r.Seq), r.Seq)
	}
	if b.opt.Signer != nil {
		say("\n   The head is signed with the key of part 1.\n\n")
		signatureCommands(say, "proof/head.p7s", "proof/head.json")
	}
}

// howToStamp explains the time-stamps.
func (b *bundling) howToStamp(say func(string, ...any)) {
	if len(b.proof.Stamps) == 0 {
		say("\n5. No time-stamp authority vouches for when these lines were in the log. The times in them are\n   by the clock of whoever keeps the archive.\n")
		return
	}
	say("\n5. When the lines were in the log: an authority stamped a head of it (RFC 3161). Put the\n   authority's own certificate, which you get from the authority and not from here, beside this\n   file as authority.pem. OpenSSL says \"Verification: OK\". Where that certificate has run out\n   since, add -attime with a second within its time.\n")
	for _, s := range b.proof.Stamps {
		head, err := s.Head.Bytes()
		if err != nil {
			continue
		}
		name := "an authority"
		if at, err := sign.CheckStamp(s.Token, head, b.opt.Trust.TSARoots); err == nil {
			name = clean(at.Authority, 80) + ", " + at.Time.UTC().Format("2006-01-02 15:04:05 MST")
		}
		f := stampFile(s.Head.Size)
		say("\n   The first %d lines: %s\n\n", s.Head.Size, name)
		say("    openssl ts -verify -token_in -in %s.tsr -data %s.json -CAfile authority.pem\n", f, f)
		for _, l := range s.Lines {
			say("    test \"$(climb %s %s)\" = \"$(root %s.json)\" && echo 'Line %d was in the log by then.'\n", lineFile(l.Line), stampPathFile(l.Line, s.Head.Size), f, l.Line)
		}
	}
}
