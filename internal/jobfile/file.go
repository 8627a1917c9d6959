package jobfile

import "encoding/json"

// Format and Version are what a file says it is.
const (
	Format  = "bareframe-job-file"
	Version = 3 // it also reads those before, which have less in them
)

// The tags: json names a field, which with omitempty may be left out; is says in
// which form a text or number stands (see forms); most bounds a list.

// Request is a file with what its reader chose for it.
type Request struct {
	File     File    `json:"file"`
	ClientID string  `json:"client_id,omitempty" is:"id"`
	Mapping  Mapping `json:"mapping,omitempty"`
}

// Mapping names, for keys that the receiving shop does not know, its own ones. An
// empty station is none.
type Mapping struct {
	Skills   map[string]string `json:"skills,omitempty" is:"key" most:"200"`
	Stations map[string]string `json:"stations,omitempty" is:"optkey" most:"200"`
}

// File is a job file.
type File struct {
	Format  string  `json:"format" is:"any"`
	Version int     `json:"version" is:"1..999999"`
	SHA256  string  `json:"sha256" is:"sum"`
	Content Content `json:"content"`
}

// Content is what a file carries.
type Content struct {
	Source   Source   `json:"source"`
	Job      Job      `json:"job"`
	Frame    Frame    `json:"frame"`
	Estimate Estimate `json:"estimate"`
	Skills   []Name   `json:"skills" most:"200"`
	Stations []Name   `json:"stations" most:"200"`
}

// Name is what a shop calls a key.
type Name struct {
	Key  string `json:"key" is:"key"`
	Name string `json:"name" is:"optlabel"`
}

// Source says where a file comes from, to be shown. Nothing of it is stored.
type Source struct {
	Shop          string   `json:"shop" is:"optlabel"`
	JobNumber     int      `json:"job_number" is:"0..99999999"`
	State         string   `json:"state" is:"word"`
	ExportedOn    string   `json:"exported_on" is:"day"`
	ClientName    string   `json:"client_name,omitempty" is:"optlabel"` // only where the exporter wants it
	PhotosLeftOut int      `json:"photos_left_out" is:"0..999999"`
	Total         string   `json:"total" is:"amount"`  // with tax, as priced there
	Finish        string   `json:"finish" is:"optday"` // as scheduled there
	Quotes        []Issued `json:"quotes" most:"1000"`
}

// Issued is a quote that was issued of the job.
type Issued struct {
	Number   string `json:"number" is:"optlabel"`
	State    string `json:"state" is:"word"`
	IssuedOn string `json:"issued_on" is:"day"`
	Total    string `json:"total" is:"amount"`
}

// Job is the job without its work.
type Job struct {
	Title          string            `json:"title" is:"label"`
	Currency       string            `json:"currency" is:"currency"`
	NotBefore      string            `json:"not_before,omitempty" is:"day"`
	Template       Template          `json:"template"`
	Vehicle        Vehicle           `json:"vehicle"`
	VehicleOptions []VehicleOption   `json:"vehicle_options" most:"20"`
	Cautions       map[string]string `json:"cautions" is:"text" most:"200"`
}

// Template names what the job was made from; Repairs is the template's own list,
// absent where the program's holds.
type Template struct {
	Name    string          `json:"name" is:"optlabel"`
	Repairs json.RawMessage `json:"repairs,omitempty"`
}

// Vehicle is the car.
type Vehicle struct {
	Make    string            `json:"make" is:"label"`
	Model   string            `json:"model" is:"label"`
	Year    int               `json:"year" is:"1885..2100"`
	Serial  string            `json:"serial" is:"optlabel"`
	Options map[string]string `json:"options" is:"optkey" most:"20"`
}

// VehicleOption is a property of the car that changes the work.
type VehicleOption struct {
	Key     string `json:"key" is:"key"`
	Name    string `json:"name" is:"label"`
	Choices []Name `json:"choices" most:"40"`
}

// Frame is the frame with what was seen on it.
type Frame struct {
	Name         string        `json:"name" is:"optlabel"`
	Zones        []Zone        `json:"zones" most:"200"`
	Observations []Observation `json:"observations" most:"8000"`
}

// Zone is a named area of the frame.
type Zone struct {
	Code           string  `json:"code" is:"zone"`
	Name           string  `json:"name" is:"label"`
	Kind           string  `json:"kind" is:"word"`
	Side           string  `json:"side" is:"word"`
	Section        Section `json:"section"`
	LengthMM       int     `json:"length_mm" is:"0..20000"`
	AreaM2         string  `json:"area_m2" is:"quantity"`
	VisiblePercent int     `json:"visible_percent" is:"0..100"`
	Plan           Plan    `json:"plan"`
}

// Section is the cross section of a zone.
type Section struct {
	Shape       string `json:"shape" is:"word"`
	WidthMM     int    `json:"width_mm" is:"0..20000"`
	HeightMM    int    `json:"height_mm" is:"0..20000"`
	ThicknessMM string `json:"thickness_mm" is:"quantity"`
}

// Plan is a zone in the plan view.
type Plan struct {
	From  Point `json:"from"`
	To    Point `json:"to"`
	Width int   `json:"width" is:"1..3000"`
}

// Point is a place in the plan view, in millimetres.
type Point struct {
	X int `json:"x" is:"-5000..15000"`
	Y int `json:"y" is:"-3000..3000"`
}

// Observation is what was seen on a zone, without who saw it.
type Observation struct {
	Zone      string `json:"zone" is:"zone"`
	Moment    string `json:"moment" is:"word"`
	Condition string `json:"condition" is:"word"`
	LengthMM  int    `json:"length_mm" is:"0..20000"`
	WidthMM   int    `json:"width_mm" is:"0..20000"`
	Note      string `json:"note" is:"text"`
	SeenAt    string `json:"seen_at" is:"instant"`
}
