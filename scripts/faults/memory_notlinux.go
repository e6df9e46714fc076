//go:build !linux

package main

func forget() {}
