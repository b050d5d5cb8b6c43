// Package electronics knows what a repairer knows of pickups, potentiometers,
// capacitors and batteries: what a code printed on one means, what copper does
// with temperature, how long a battery lasts, and which values do not belong
// together.
//
// Start with Check, which looks over a record and says what deserves a second
// look, each with its reason; At20, Resistor, Capacitor, Bands and BatteryDue
// are the pieces it is made of. Values are in the units of the record:
// kilohms, nanofarads, henries, picofarads, volts, milliamperes.
//
// It works after IEC 60062 (codes), IEC 60063 (preferred values) and IEC 60028
// (copper) and claims no conformity with them. What is common practice or from
// memory is marked where it stands. A finding is a reason to look, never a
// verdict on whether an instrument is genuine.
package electronics
