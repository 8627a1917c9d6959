package store

import (
	"errors"
	"reflect"
	"strconv"
	"strings"
	"sync"

	"gorm.io/gorm"
	"gorm.io/gorm/schema"
)

// layout says how a record lies in its table.
type layout struct {
	query  string // select of all columns, up to "WHERE "
	fields [][]int
}

var (
	layouts sync.Map // record type to layout
	schemas sync.Map // gorm's own
)

// layoutOf reads a record's table and columns from its gorm schema.
func layoutOf[R any](db *gorm.DB) (layout, error) {
	kind := reflect.TypeFor[R]()
	if known, ok := layouts.Load(kind); ok {
		return known.(layout), nil
	}
	parsed, err := schema.Parse(new(R), &schemas, db.NamingStrategy)
	if err != nil {
		return layout{}, err
	}
	var l layout
	var columns []string
	for _, f := range parsed.Fields {
		columns = append(columns, `"`+f.DBName+`"`)
		l.fields = append(l.fields, f.StructField.Index)
	}
	l.query = "SELECT " + strings.Join(columns, ", ") + ` FROM "` + parsed.Table + `" WHERE `
	layouts.Store(kind, l)
	return l, nil
}

// load reads rows straight into the fields of records: several hundred tasks
// of thirty columns each are read at once, and gorm's own scanning takes twice
// as long for them.
func load[R any](db *gorm.DB, order string, limit int, condition string, args ...any) (out []R, err error) {
	l, err := layoutOf[R](db)
	if err != nil {
		return nil, err
	}
	text := l.query + condition
	if order != "" {
		text += " ORDER BY " + order
	}
	if limit > 0 {
		text += " LIMIT " + strconv.Itoa(limit)
	}
	rows, err := db.Raw(text, args...).Rows()
	if err != nil {
		return nil, translated(db, err)
	}
	defer func() { err = translated(db, errors.Join(err, rows.Close())) }()
	out = []R{}
	into := make([]any, len(l.fields))
	for rows.Next() {
		var none R
		out = append(out, none)
		record := reflect.ValueOf(&out[len(out)-1]).Elem()
		for i, field := range l.fields {
			into[i] = record.FieldByIndex(field).Addr().Interface()
		}
		if err := rows.Scan(into...); err != nil {
			return nil, err
		}
	}
	return out, rows.Err()
}

// values runs a statement that gives one value a row. It is not gorm's Scan,
// which hands the values of parameters to the log.
func values[T any](db *gorm.DB, text string, args ...any) (out []T, err error) {
	rows, err := db.Raw(text, args...).Rows()
	if err != nil {
		return nil, translated(db, err)
	}
	defer func() { err = translated(db, errors.Join(err, rows.Close())) }()
	for rows.Next() {
		var v T
		if err := rows.Scan(&v); err != nil {
			return nil, err
		}
		out = append(out, v)
	}
	return out, rows.Err()
}

func translated(db *gorm.DB, err error) error {
	if t, ok := db.Dialector.(gorm.ErrorTranslator); ok && err != nil {
		return t.Translate(err)
	}
	return err
}
