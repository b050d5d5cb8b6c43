package pdfout

import (
	"fmt"

	"wornwood/annotate/grade"
	"wornwood/capture/record"
)

// rubric is what the attached grade was made by: one of the program's, told by
// its hash alone, or the one inside the report. Nil after it has said why
// neither will do. A rubric inside is never taken for one of the program's,
// whatever it calls itself.
func (c *checker) rubric(rec *record.Record, said *grade.Result) *grade.Rubric {
	if asked := rec.Examination.Rubric; asked != "" && asked != said.RubricHash {
		c.v.say(RubricOther, Bad, fmt.Sprintf("The record is to be graded by the rubric %.16s …, and the grade was made by %.16s ….", asked, said.RubricHash))
		return nil
	}
	if own := grade.ByHash(said.RubricHash); own != nil {
		return own
	}
	table := c.inside(RubricName)
	if table == nil {
		c.v.say(RubricUnknown, Bad, fmt.Sprintf("The grade was made by tables that this program does not have (%q, %.16s …), so it cannot be computed again here. A newer version may have them.", said.Rubric, said.RubricHash))
		return nil
	}
	if hexSum(table) != said.RubricHash {
		c.v.say(RubricOther, Bad, fmt.Sprintf("The rubric inside the report (%.16s …) is not the one that its grade names (%.16s …).", hexSum(table), said.RubricHash))
		return nil
	}
	r, err := grade.Load(table)
	if err != nil {
		c.v.say(RubricUnknown, Bad, fmt.Sprintf("The grade cannot be computed again, because %v.", err))
		return nil
	}
	if r.Hash() != said.RubricHash {
		c.v.say(RubricOther, Bad, "The rubric inside the report is not in the one form that a rubric has, so different programs might read it differently.")
		return nil
	}
	return r
}
