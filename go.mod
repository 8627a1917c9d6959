module bareframe

go 1.26
