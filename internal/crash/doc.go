// Package crash holds no code that runs in the product. Its tests run the real
// binary as processes of their own and take things away from it: its life at
// any moment, its time to stop, its room on the disk, its being alone on a
// database. They ask what a person would ask afterwards: is everything that was
// acknowledged there, once, and does the trail still hold.
//
// A test process that is killed stands for a crash of the program. It does not
// stand for a power cut: what the operating system had accepted but not yet put
// on the disk survives a killed process. That a commit waits for the disk is a
// setting of the store (synchronous=FULL) that the store's own tests read back.
package crash
