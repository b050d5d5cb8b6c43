// Package look is how the window looks: the theme (colours, sizes, typefaces),
// gapless layouts with hairlines, and the small widgets of which screens are
// made.
//
// Start with New, the theme, then Rows, Columns and Panel to divide a screen
// and Button, Segments, Select, Field, Table and the rest to fill it. Sizes of
// text are 11, 12, 13, 15 and 18.
//
// Widgets read their colours whenever they are refreshed, so a change of theme
// reaches all of them. They hold no rules: they show what they are given and
// report what was done to them.
package look
