module bareframe

go 1.26

require (
	github.com/shopspring/decimal v1.6.0 // indirect
	pgregory.net/rapid v1.3.0 // indirect
)
