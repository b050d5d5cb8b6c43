package page

func (l *layout) responses() {}
