package trial

// Lap is a lap as a device recorded it, on the recording's own clock.
type Lap struct {
	StartS, EndS float64
	DistanceM    float64 // as the device measured it; missing when it did not
	Trigger      string  // manual, distance, time, position, session_end, fitness_equipment; "" unknown
	Step         int     // of the workout that the device guided through, from 1; 0 without one
}

// Pause is a time on the recording's own clock during which the timer of the
// device was stopped.
type Pause struct{ StartS, EndS float64 }
