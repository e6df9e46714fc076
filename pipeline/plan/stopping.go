package plan

// StopByPrecision says when to stop, and why not otherwise.
const StopByPrecision = "Stop when the interval is narrow enough to decide by, whatever it shows. Say before you " +
	"start how narrow that is. Do not stop because a p value is small. If you look after every session, " +
	"one falls below 5 % by chance far more often than one time in twenty. A difference found that way is too large " +
	"on average."
